"""The local page: addresses to tasks, answers to a page in the browser."""
