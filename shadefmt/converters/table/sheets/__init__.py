"""Spreadsheets: XLSX (ISO/IEC 29500) and ODS (ISO/IEC 26300) as tables."""
