"""`python -m nesting` is the command `steelyard`."""

from nesting.cli import main

main()
