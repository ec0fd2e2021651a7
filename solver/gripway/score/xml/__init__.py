"""XML as bytes and as a tree: read safely, packed and unpacked, inserted into."""
