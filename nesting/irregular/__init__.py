"""The solver of irregular outlines: polygons on a strip or sheets, closer and closer without overlap."""
