"""What a reader asks to see → the state of each part."""
