"""`python -m gripway`."""

from gripway.cli.app import main

main()
