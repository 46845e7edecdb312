"""What the year really earned: by project, by channel, and in all.

Decisions:

- A channel bears the slips and drives that name it. Selling slips that name none are shared by
  sales, each row of the ledger taking its part, so that projects, channels and days add up to the
  same sum. Where no channel has sales yet, nobody bears them.
- Fees and postage on slips are left out for a channel whose own rows hold some, as both would say
  the same; a line says how much that is. What such a slip alone holds, a monthly plan for example,
  counts under a category of overhead.
- The hours of a sold piece are the log's, else the planned ones; hours at the stall are counted by
  the channel, never by the project.
- Rules read worked-out columns of the ledgers: a row typed below a table counts after a compile,
  and Checks names it until then.
"""
