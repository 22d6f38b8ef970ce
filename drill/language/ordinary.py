"""Ordinary English words that are nearly words of the trade, and are not taken for misspellings of them.

Found among the 40,000 most frequent English words (as counted by the wordfreq package, 3.1) by what the speller would
have made of them; where a word is more often a slip than meant ("loosing", "metre"), it is left out.
"""

from __future__ import annotations

from drill.language.words import word_set

ORDINARY = word_set(
    """aborted aborting abound account acme across affirmation aground airports alter altered altering alternate
    alternately alternating alters altitude altitudes angel angle approached approaching aptitude assistants
    attitude attitudes aviation bacon bale barley batter battered batteries battle beaker bearing beating being
    bending better bitter bleu boots braces breaking brunt bumped bumpy burned butter buttery calling calm caption
    casual cation cats center central changing channel charing charming charting cheating checked cleanser clearing
    cleaver climbed climbs clocks closes closet closets clover coalitions cockpit coed collection collusion commas
    company compared compass compasses comprises condition conditioner conditioners conducting connection
    connections connective consenting consequence contacting contesting continued continuing contract convection
    converting convictions cookie cooling correct corrected correcting corrective correlation corruption counted
    counter country county covered covering covers covert cpus crab curse cusp dairy dealing declare declared
    decrees dedication departed departing departs derivation descendant descent descents diary direct directed
    direction directions discarding dissection diver divers diverted divest divination drafting dripping dropping
    dumped earned eats eight eighth electrician electronica elects emergencies ending engined engines enter entered
    examined fabled faces failing falling farther father fats fearing feather feeding feeling field fields fight
    filed files filing filling final finally finals flailing fling flipping flower foiled form forms frequencies
    frequent frequently fright frying funnel further gather gauge gauges gorge graces gratitude greeting grumpy
    handle hater hating headed header headings healer healing hearing hearings heather heating heaven heavily
    heaving height heights herding hester hoes holder hole holes hopping horizons horizontal horses houses hundreds
    imperative indicate indicated indicating indicative indignation infections informatics informative injections
    insect inspected instalment instalments instruction instructions instructor instrumentals intention inventions
    invitation invitations invocation jumped jumping knot known knows lair landed landing lather latitude leading
    leaking leaning leaping learned learning leasing leather leaving lending leveled levels lien linens liners
    linking loading longer loving lower lumped magnet magnets maintained maintenance making maps meaning meeting
    miles minded mines minute minutes mister monitored muster national nearby nearer nearing nearly needing niches
    noting notting originator outbound paces panels panes parking parted partially party peaking peeling percent
    piles pilot pilots pistol pistols places planes plates plunged ponder powder powdered power powerpoint powers
    practise priorities processing proves pumped pumping quantify quiet quite races radios radius rather ratios
    readily reading ready realy reaping rearing reason reasons redding reduced reducing regaining region regions
    reject rejected rejecting remain reply report reported request requested requests retaining retraining returned
    reverence rotting rouge ruining runnel sacred saved sealing season seating section sending sequence shaved
    shields shopped shopping shoving shower singing slated slipping slower slowing smarter smiles snitch soul souls
    sounds sowing spanning sparse speaking spilt standing stands static stating station status steadily steamy
    stepped stinking stitch stomped stopper straighten straightened straightening straights strange stranger
    strangle strode stroke strokes stronger strongest struck sued swatch table tabled tables taking thinly thousands
    tiles timber timely timing tipping topping tower towers traces trail trails transporter transporters treason
    trial tron tuned tuning tunnel turned undeniable under united vacant vacuums values valves vector vectored
    verified verily verity victors vision visually waking waning warming warping warring weaker wearing weather
    weathered weight weights wether whether widescreen widow widows window winds winking wonder wondered wondering
    wording wrongs yields""")
