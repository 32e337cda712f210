"""The solver: one door, ``solve``. It sees no file, no database and no terminal."""
