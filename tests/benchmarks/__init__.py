"""Benchmarks: run by hand, they report ratios against a reference measured in the same run.

Measured on 2 cores with Python 3.11 before version 0.9. `cutting` stands in DEVELOPERS.md.

`python -m tests.benchmarks.compile_time`: a compile beside openpyxl writing as many cells.

| shop | cells | ours (s) | openpyxl alone (s) | ratio | µs a cell | read and plan (s) |
| --- | ---: | ---: | ---: | ---: | ---: | ---: |
| 1 project | 11,963 | 0.38 | 0.12 | 3.28 | 31.6 | 0.13 |
| 10 projects | 23,034 | 0.56 | 0.26 | 2.14 | 24.3 | 0.26 |
| 100 projects | 135,966 | 2.50 | 1.24 | 2.01 | 18.4 | 1.55 |
| 300 projects | 389,493 | 6.32 | 3.69 | 1.71 | 16.2 | 4.24 |
| 300 sales | 20,851 | 0.54 | 0.23 | 2.30 | 25.9 | 0.15 |
| 3,000 sales | 74,851 | 1.33 | 0.66 | 2.02 | 17.8 | 0.24 |
| 10,000 sales | 214,851 | 3.51 | 2.05 | 1.71 | 16.3 | 0.50 |

`python -m tests.benchmarks.recompile_time`: a compile of a filled workbook beside openpyxl's bare
load and save of it: 2.5 times for 300 sales, 2.2 for 3,000, 2.3 for 10,000 (25 s of processor
time).

`python -m tests.benchmarks.recalculation_time`: LibreOffice's recalculation as ledgers grow, in
processor seconds. It trusts stored values when it opens a file, so the difference is the
recalculation; it is uncertain by a second or two.

| sales | purchases | open (s) | open and calculate (s) | calculate (s) |
| ---: | ---: | ---: | ---: | ---: |
| 1,000 | 200 | 10.8 | 13.1 | 2.3 |
| 3,000 | 600 | 13.7 | 17.2 | 3.4 |
| 10,000 | 2,000 | 29.8 | 51.5 | 21.6 |

With Selling days and Results (50 days, 12 projects), opening and calculating takes 5.8 s for 1,000
sales and 48.9 s for 10,000; 5.4 and 48.3 s the commit before. With the sheets and columns of all
that came since then it is 7.5 and 73.8 s, 9.8 times, beside 5.1 and 48.1 s, 9.4 times, of a commit
without Selling days in the same run on a busy machine. Both open as slowly with stored
values: LibreOffice calculates all of a file that names a program it does not know.

`python -m tests.benchmarks.cutting --sets luck`: sheets beside a plain random multi-start with as
much processor time, 60 jobs of 5 to 60 kinds (12 to 150 pieces), inches and millimetres, with grain
and without. METHOD 11, 2026-12-01.

| jobs | proved | fewer sheets | as many | more |
| ---: | ---: | ---: | ---: | ---: |
| 60 | 40 | 11 | 49 | 0 |

`--sets gaps`, METHOD 11, 2026-12-01 (in brackets METHOD 9 where it differed): ripped lumber of many
kinds, one job each, what is left between cost and bound.

| kinds | batch 1 | batch 10 | batch 100 | batch 1000 |
| ---: | ---: | ---: | ---: | ---: |
| 5 | 0.00 % | 0.00 % | 0.00 % | 0.01 % |
| 10 | 0.00 % | 0.16 % | 0.07 % | 0.01 % |
| 20 | 0.00 % | 0.00 % | 0.04 % | 0.00 % |
| 40 | 2.89 % (0.47) | 0.34 % | 0.03 % | 0.01 % |
| 80 | 2.21 % (3.32) | 0.60 % (0.82) | 0.04 % | 0.01 % |

Of 24 other jobs of 8 to 20 kinds (seeds 10 to 15, batch 1) METHOD 10 proves 11 and METHOD 9 proved
10; three plans are cheaper and none is dearer.

`--sets first_second`, METHOD 11, on the idle machine: the best plan after a second of processor is
within 2 % of the last one in all 15 lines of 5 to 80 kinds and batches of 1, 10 and 100 (METHOD 10:
13); in an earlier run on the same day, slower, in 14, with 3.34 % for 80 kinds at a batch of 100.

`--sets tight`, METHOD 11: boards of 45 x 145 x 3000 mm cut apart on a grid of 1 mm with next to
nothing left over, 12 jobs each; as many boards found again and proved: 12, 12, 12, 10, 6 and 2
times for 1 to 6 boards. For 1 to 4 METHOD 7 came to 12, 12, 9 and 7, METHOD 8 to 12, 11, 10 and
6. The steps were chosen on these jobs; of six others each, of 3 and 4 boards (seeds 12 to 17),
METHOD 9 finds 4 and 5, METHOD 8 found 5 and 3.

Of 21 published jobs that were tried side by side with METHOD 7 (every third of Hard28, every second
of 60 triplets) each comes to as many boards. METHOD 8 reaches the published optimum in 147 of 152
jobs of all classes, and misses four of Hard28 and one of the triplets, as METHOD 7 does. METHODs 9
to 11 reach it in 140 of 143 (`--limit 10`); the three that METHOD 9 misses are METHOD 8's.

Work at the saw before like neighbours were joined and equal plans ranked, and by METHOD 11, both
counted by `planning.saw.effort`: ripped blanks, settings, passes, minutes. The other projects of
the examples rip nothing, or change by no more than four minutes either way.

| project | pieces | before | METHOD 11 |
| --- | ---: | --- | --- |
| boot bench | 2 | 4, 9, 38, 44.0 | 2, 10, 33, 36.5 |
| hook rail small | 8 | 7, 7, 49, 58.5 | 2, 9, 30, 33.0 |
| lap desk | 3 | 8, 15, 164, 124.0 | 3, 17, 151, 109.5 |
| slat planter | 20 | 76, 16, 738, 619.0 | 30, 18, 510, 291.0 |
| spoon rack | 6 | 9, 11, 66, 73.0 | 2, 12, 43, 45.5 |
| plant stool | 3 | 11, 14, 77, 80.0 | 5, 16, 61, 64.0 |
| plant stool | 12 | 43, 13, 294, 227.0 | 15, 16, 218, 141.0 |

`python -m tests.benchmarks.same_plans`: plans alone and with four busy processes beside, byte by
byte. The 11 projects of both examples with their rows of Yield, and six jobs drawn at random (two
of sheets, two of ripped lumber, two tight ones) come to the same plans, the busy ones up to eight
times later by the wall.

`python -m tests.benchmarks.cold_compile`: a first compile on two cores, planning and the rest
apart; METHOD 9, 2026-12-01, idle. Of 30 projects METHOD 7 planned 236 s of the processor and all
took 131.6 s, METHOD 8 77.6 s and 47.5 s; what pricings come to is remembered since. 100 projects
take 74.8 s. METHOD 11 on the same machine when it was slower: 30 projects 41.4, 44.9 and 37.0 s
where METHOD 9 took 41.8 s, 100 projects 104.0 s, harbor-lane 7.4 s; the whole command, with
Python's start, takes 8.3 s for harbor-lane where METHOD 9 takes 10.7 s.

| shop | planning, wall (s) | planning, processor (s) | the rest (s) | in all, wall (s) |
| --- | ---: | ---: | ---: | ---: |
| harbor-lane | 3.0 | 4.9 | 2.4 | 5.3 |
| fjordside | 2.5 | 2.8 | 1.7 | 4.2 |
| 10 projects | 10.3 | 19.2 | 2.9 | 13.2 |
| 30 projects | 24.8 | 48.3 | 5.5 | 30.3 |
"""
