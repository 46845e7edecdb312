"""Rules as expressions: printed as formulas, evaluated with pandas, told in words.

An expression is the rule of a column or a line. It is total: no expression can give an error
value, because division, look-up and average carry their own answer for the empty case. Nothing
in this package knows of wood or money.
"""
