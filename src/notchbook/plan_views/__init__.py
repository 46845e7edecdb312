"""A plan as people see it: in sentences, in letters, in ink; cautions and slanted ends."""
