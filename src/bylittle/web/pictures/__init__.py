"""Photographs of the child's own things: made ready, consented to, and put on the family's pages."""
