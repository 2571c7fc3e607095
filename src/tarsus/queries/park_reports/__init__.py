"""The park's reports, a module a report; `register` says which there are and who may ask for them."""
