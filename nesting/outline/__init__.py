"""Plane outlines of parts: closed contours of straight lines and arcs, in millimetres."""
