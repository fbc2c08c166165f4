"""Its place puts this folder on the import path, so that all tests can import what they share (randoms, staged)."""
