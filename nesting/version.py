"""Version of the program, written into every plan."""

VERSION = "0.1.0"
