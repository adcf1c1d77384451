"""Writes crates/steadypull-logs/tests/open/xlwt.xls with xlwt, a writer of Excel's format of 1997 to 2003:
xls.py FILE

xlwt 1.3.0 under Python 3.11. Numbers are made up by a rule that tests/open.rs repeats. Remarks are long and none is like
another, so that the strings they share go on over several records; some have letters beyond Latin-1.
"""
import sys

import xlwt

book = xlwt.Workbook(encoding="utf-8")
words = book.add_sheet("Notes")
words.write(0, 0, "Nothing but words here")

log = book.add_sheet("Log µ")
stamp = xlwt.easyxf(num_format_str="yyyy-mm-dd hh:mm:ss.000")
plain = xlwt.easyxf(num_format_str='0.00 "days"')
log.write(0, 0, "A test of nothing")
for column, name in enumerate(["When", "Load µ (kN)", "Travel (mm)", "Remark", "Count"]):
    log.write(1, column, name)
start = 47969 + 10 / 24  # xlwt keeps whole seconds of a datetime; that day as xlrd 2.0 reads its number is 2031-05-01
for n in range(150):
    row = n + 2
    log.write(row, 0, start + n / 4 / 86400, stamp)
    if n % 50 == 7:
        log.write(row, 1, ["n/a", "null", "missing"][n // 50])
    elif n % 50 == 8:
        log.write(row, 1, None)
    else:
        log.write(row, 1, n / 8 + 1e-9 * n, plain)
    log.write(row, 2, n - 30)
    log.write(row, 3, f"remark {n} " + ("Ω" if n % 3 == 0 else "x") * (40 + n))
    log.write(row, 4, n * 100 + 0.25)
book.save(sys.argv[1])
