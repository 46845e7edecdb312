"""What every room may use: refusals, sentences, the bar at a terminal."""
