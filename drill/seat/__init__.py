"""What every face needs to put one pilot before a flight: sitting, telling, pace, records and their journal."""
