"""Jobs in: a workbook or a folder of .csv files becomes a checked Job, or every finding at once."""
