"""Texts, tables and pages made from a Picture, a Forecast or a record."""
