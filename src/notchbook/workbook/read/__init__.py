"""A workbook read: found, judged safe, its given cells understood.

Given cells are found by the defined names that the writer leaves (one a header, one a line, one a
sheet), so that renamed, moved and retyped things are found, also after LibreOffice saved the file.

Decisions:

- The workbook is found by the shop's name and year, and where none bears that name, as the only one
  of ours in the folder that is named for the year. So a shop that gets a new name, in shop.yaml or
  on Settings, keeps its ledgers, and its file is renamed. Two such files are asked about.
- A formula is taken for the maker's where it is not the rule that the last compile wrote into that
  column, by the copy kept of it. So another version's rules never hide one, nor are taken for one.
- Columns of years come and go with the lives of tools. A column that has an anchor and is no more
  was worked out by us: it is looked through for typed values, and nothing in it is the maker's.
"""
