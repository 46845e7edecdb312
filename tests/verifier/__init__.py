"""What the verifier of cutting plans knows; none of it is shared with the planner."""
