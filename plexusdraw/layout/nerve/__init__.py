"""The picture of one nerve: its course from proximal to distal."""
