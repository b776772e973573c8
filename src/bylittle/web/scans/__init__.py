"""Paper that comes back: photographs of log sheets, read, settled and taken into the record."""
