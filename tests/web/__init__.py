"""The page's server."""
