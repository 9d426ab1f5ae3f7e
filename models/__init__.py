"""What a pump is: dimensions, parts, builds and their solids. Knows nothing of the program around it."""
