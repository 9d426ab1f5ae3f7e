"""What stands beside the picture, one pane at a time."""
