"""What a partner is handed: the cut of the book, its words, the price list.

The copy is no second set of sheets: `copy` cuts its book out of the whole one, and the same
writer draws it. It starts from the columns of the shown sheets and of the tables that their
charts draw, and follows `needs` to every column and line that their rules read. A rule that reads
a sheet which stays at home (a ledger, Checks, Year-end) is left out, with all that reads it: a
new sheet or column stays at home until someone lists it. `AS_VALUES` names the few columns that
go along as what they were: the average price seen, the wear of tools. `PRIVATE` lines stay, and
what they judge. Rows are those of the projects, and of shared tables what these refer to
(`SHARED`); a table that has none is left out, and `language.without` rewrites the rules as if it
were not there. The cut is worked out anew, so its stored values are its own. What a shown sheet
holds that is no project's (no column `project`) stays at home.

Decisions:

- A price list is worked out in the whole book and taken out as values, because any formula for a
  price leads to its cost.
- What is there now of the stock that is used goes along, as a value: what to buy is worked out from
  it, and a copy that shows other amounts than the shop's own workbook would be no copy.
- Texts are the maker's own words; where one names another project or a vendor, a notice says so.
"""
