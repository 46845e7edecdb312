"""What is planned and what comes out: problem, plan, and the whole-step grid between."""
