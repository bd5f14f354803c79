"""Constants that several modules of the room share."""

G = 9.80665  # m/s2, standard gravity: exact by definition (CGPM 1901)
CONCRETE = 2400.0  # kg/m3, as the design fixes it
FRESH = 1000.0  # kg/m3, pool water, as the design fixes it
