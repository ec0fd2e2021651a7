"""`python -m gripway`."""

from gripway.cli.app import launch

launch()
