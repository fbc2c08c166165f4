"""Text of a YAML file → values, with the line of each: the one reader of every file a user writes."""
