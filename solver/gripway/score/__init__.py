"""The only readers and writers of scores."""
