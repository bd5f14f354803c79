"""What leaves the desk: one job's guide as a folder, one file, and paper."""
