"""The project's own data: shells, pipes, grounds, materials, fabrics, threads, regions, sources."""

from builder.catalogue.nearest import nearest
from builder.catalogue.rows import (
    Fabric,
    Grading,
    Ground,
    Material,
    Pipe,
    Region,
    Row,
    ShellRow,
    Source,
    Standard,
    Thread,
    Trade,
)
from builder.catalogue.store import Catalogue, load

__all__ = [
    "Catalogue",
    "Fabric",
    "Grading",
    "Ground",
    "Material",
    "Pipe",
    "Region",
    "Row",
    "ShellRow",
    "Source",
    "Standard",
    "Thread",
    "Trade",
    "load",
    "nearest",
]
