"""One function, one number: SI in, SI out. Knows no job, no file and no drawing.

Every function is keyword-only, carries its printed formula and source (`builder.quantity`), and
is read and tested without ever having seen a job spec. Nothing is clamped: where a formula has no
answer the function raises, and the checks room decides what that means.

A name means the same in every function; what a function means by its own names, it says itself.

    groundwater, water_level        depths below the rim of the groundwater and of the pool's water
    seat, floor_deep                depths of the inside floor at the relief valve, and where it is deepest
    underside_deep                  depth of the underside of the deepest floor
    *_below_rim, *_above_rim        a height below or above the rim, as the job gives it
    below_lid                       from the lid's level, which is the paving's, down to the tube's top
    *_below_ground                  a depth, or the part of a body, below the ground
    overdug, makeup                 dug too deep, and what makes up for it
    floor_thickness                 vertical thickness of the floor's laminate
    shell_mass, beam_mass, mass     the bare shell; a tied ring beam less the water it displaces
    water_inside, displaced         water in the pool; outside solid below the groundwater
    pool_density, groundwater_density   of the water in the pool and in the ground
    laminate_density, concrete_density, density   of the material named
    volume, volume_under_water      the whole of a body; its part below the groundwater
    float_height, tip_height        groundwater above the lowest underside that lifts it level, or one end
    panel_head                      water under the floor that carries the laminate's weight
    opening_head                    net head that opens the relief valve
    throat_area, mesh_area          what the water passes at the valve
    discharge_coefficient, effective_area   of an orifice; coefficient times area
    factor                          shape factor F: flow is k F times the head
    k, k_low                        permeability; the low end of its band
    permittivity                    of a fabric: flow through a square metre each metre of head
    porosity, *_porosity, pore_area     share of voids; voids in a metre of depth, as an area of open water
    gap_area, equivalent_radius     plan area between dig and shell; radius of a circle as large as the dig
    base_length, base_width, base_area      of the dig's base
    bedding, thickness, depth, width, radius, area  plain sizes of the body the function names
    diameter, outside_diameter, wall, bore  of the tube; diameter is that of its intake
    slotted, slot_length, slot_width, rows, pitch   the slotted length, one slot, rows along the tube
    wet_slots, wet_length           of them, what lies below the water in a pumped tube
    entrance_velocity               of water through the slots that draws no fines along
    in_tube, in_gravel              depths of the water in a pumped tube and in the gravel round it
    sump, pit, sump_pores           the square pit under the valve, the pit under the tube, voids of the sump
    poured                          water poured at the valve's pocket
    d10, d15, d60, d85              the size that so many per cent of a material are finer than
    small, large                    the sieves on either side of a size
    opening, required               of a fabric or hole; what is asked for
    unit_weight_moist, unit_weight_saturated, friction_angle    of the fill beside the wall
    fill_top, outside_water, inside_water   depths of the fill's top and of the water on either side
    at_rest, surcharge              sideways over vertical pressure; pressure on the ground beside the wall
    drawdown, held_to               how far, and down to which depth, groundwater is drawn
    inflow, tube_yield, flow        what runs into the dig; what the tube gives; what the tap gives
    catchment, runoff               plan area that sheds rain into the dig, and the share it sheds
    volume_above, volume_below      of the gap, above and below the underside
    bulking, bulked_volume, truck   loose over bank volume; spoil on the heap; what one truck takes
    spare                           factor on a weight for what comes with it
    g                               standard gravity
"""
