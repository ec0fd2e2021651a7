"""One file a command: arguments to a task, its answer out."""
