"""What a script asks of a stay, by a file and a time; `from alongside import …` leads here."""
