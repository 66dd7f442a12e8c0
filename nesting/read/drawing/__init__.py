"""Drawings in: the outlines of parts from DXF files."""
