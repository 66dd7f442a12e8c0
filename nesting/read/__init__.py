"""Jobs in: a workbook or a folder of .csv files becomes a checked `Job`, or every finding at once."""

from nesting.read.job import Shelf, read_job, read_tables
from nesting.read.problems import find_source_problems
from nesting.read.start import start_job
from nesting.read.understood import Understood, understood

__all__ = [
    "Shelf",
    "Understood",
    "find_source_problems",
    "read_job",
    "read_tables",
    "start_job",
    "understood",
]
