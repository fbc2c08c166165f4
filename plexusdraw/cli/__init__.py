"""Part of plexusdraw."""
