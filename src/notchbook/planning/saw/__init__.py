"""From a plan to the saw: cuts in order, settings, offcuts, steps.

`bench` letters the boards and numbers the blanks, `cut_order` finds the cuts of a section or sheet,
`passes` groups them by fence, `setups` lists every setting, `steps` and `saw_words` say it.

Decisions:

- Steps come from the plan alone. The cuts of a section are found again from the corners of its
  strips: of all orders that the blade's depth allows, the one with the fewest settings that serve
  no finished side, then with the fewest turns of the wood, then with the fewest cuts. Each setting
  is made as late as something still has to be cut before it, the widest first, so that it is made
  once where it can be. `effort` counts settings and passes, each with its minutes, rips of short
  blanks more: of plans that cost the same, the quicker is the better.
- Offcuts are what the cuts of the steps leave, not what the search thought would be left.
"""
