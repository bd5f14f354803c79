"""What leaves the desk: one job's issue as a folder and a zip, and the record of what was sent.

Importing this room loads nothing heavy; the website and the printing are loaded by the first pack.
"""

from builder.pack.order import Order, Packed, base_url_fault
from builder.pack.ready import faults_of, stop_lines
from builder.pack.send import send, standing
from builder.pack.used import where_used

__all__ = ["Order", "Packed", "base_url_fault", "faults_of", "send", "standing", "stop_lines", "where_used"]
