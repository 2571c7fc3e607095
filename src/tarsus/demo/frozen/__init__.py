"""The invented park as plain rows, as the bulk reader takes them."""
