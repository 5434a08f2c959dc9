"""What was issued, in > a register and a store that lose nothing and show every change."""
