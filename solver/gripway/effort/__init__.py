"""What holding a grip and moving to the next one costs, as ledgers of named parts."""
