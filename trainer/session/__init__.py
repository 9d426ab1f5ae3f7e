"""What a learner, an instructor or an assembler can do, and what follows. No screen, no web."""
