"""Texts, tables and pages made from a Picture, an Outlook or a record."""
