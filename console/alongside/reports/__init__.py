"""Texts, tables and pages made from a Picture, an Forecast or a record."""
