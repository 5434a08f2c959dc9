"""What left the clinic > numbered entries nobody can change unseen, and its files, encrypted, found by their digest."""
