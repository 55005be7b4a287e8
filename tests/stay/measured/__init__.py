"""A stay file with what an officer measures: tape, paces, certificates, trade kinds; hand-worked values."""
