"""Deeds: every act that changes the register, declared once. Forms, routes and rights are read from here."""
