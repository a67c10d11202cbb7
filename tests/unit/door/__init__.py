"""The front door: what a bore is started with, what is recorded, what is answered and what is refused."""
