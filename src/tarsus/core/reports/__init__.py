"""Reports: one description of each, from which page, paper and workbook are made."""
