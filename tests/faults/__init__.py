"""Files that once broke the tool, and the suite that looks for more: `python -m tests.faults`."""
