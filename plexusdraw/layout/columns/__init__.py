"""The picture in columns: roots, trunks, divisions, cords, terminal branches."""
