"""What can be done in the window, one kind of deed a module; each connects itself to the window."""
