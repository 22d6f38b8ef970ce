"""The board: the scenarios that there are to fly, and the flights that wait to be flown on."""
