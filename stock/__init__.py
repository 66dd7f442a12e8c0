"""What material is, and what there is of it: lengths, sections, grades, offers and the rack."""
