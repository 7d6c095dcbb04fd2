"""Which part gives what is wanted: a part's number is sought on the whole car, which is put to rest anew with each try."""
