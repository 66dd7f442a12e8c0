"""What a settled plan has to spare: fill parts, and hints for the designer."""
