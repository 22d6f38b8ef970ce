"""Where the grader's own standards are written, as every finding cites them."""

REPORT = "14 CFR 91.183(c) (duty), 91.187(b) (content)"
URGENCY = "AIM 6-1-2 a; FAA-P-8740-52"
PLAIN_WORDS = "AIM 6-3-1 a"
CONTROL_FIRST = "FAA-H-8083-15B ch. 11: control first, then the call"
GYROS = "FAA-H-8083-15B ch. 11"
BANK = "AC 91-75 sec. 4 (standard rate); 14 CFR 91.307(c) (60 degrees); 30 and 45 degrees: the trainer's authors"
SPEED = "the airplane's handbook: never-exceed speed and the end of the green arc"
ONE_THING = "common practice, no source"
RECOGNITION = "DOT/FAA/AM-02/19"
FALSE_ALARM = "common practice, no source"
VISUAL_FIRST = "FAA-P-8740-52"
PLAN = "FAA-H-8083-15B ch. 11; 14 CFR 91.3"
CANCEL = "14 CFR 91.123(a), 91.155, 91.173; AIM 5-1-15"   # cancelling is for VFR weather; IFR takes a clearance
MINIMUM_ALTITUDE = "14 CFR 91.177(a)"
BELOW_MINIMUMS = "14 CFR 91.175(c), (e)"   # descent below DA or MDA, and the missed approach; from memory
LIMITS = "the airplane's handbook; 14 CFR 91.9(a)"
CLEARANCE = "14 CFR 91.123(a), (b)"
CLARIFY = "14 CFR 91.123(a)"   # uncertain of a clearance: ask at once; from memory
READ_BACK = "AIM 4-4-7(b)"   # altitude assignments, vectors, runways; from memory
HOLD_SHORT = "AIM 4-3-18 a 9; FAA JO 7110.65 3-7-2"   # from memory
ANSWERING = "AIM 4-2-3, 6-1-1; FAA JO 7110.65 10-2-1 (what ATC asks for)"   # from memory
LEAVING = "14 CFR 91.123(a)-(c); AIM 5-3-3 a (leaving an altitude is reported)"
NO_GYRO = "AIM 5-4-11"          # turns at once, when told; from memory
GLIDE_PATH = "FAA-S-ACS-8C IR.VI.B (three-quarter scale); AIM 1-1-9"   # from memory
CALLSIGN = "AIM 4-2-4"          # shortened only after ATC has; from memory
CONTROL = "14 CFR 91.3; FAA-H-8083-15B ch. 11"
