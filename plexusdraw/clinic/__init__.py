"""What an injury takes, what findings tell, and the words for both."""
