"""What happens at the edge: chip, force, push-off, power, finish, wear, heat."""
