"""The technician's card: one page for a talk."""
