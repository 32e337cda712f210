"""The columns of the tables that the beam search works on."""

# Columns of the table of classes: a class is one kind of stock item in one direction of first cut.
(
    C_U1,  # first usable u
    C_U2,  # end of usable u
    C_V2,  # end of v
    C_KU,  # kerf of cuts across u
    C_KV,  # kerf of cuts across v
    C_RIP_SECTION,  # least section length for strips to be ripped from it; -1 no rule
    C_RIP_SEGMENT,  # least length of a piece ripped inside a strip or segment; -1 no rule
    C_RIP_WIDTH,  # most width of a section as it comes to the rip saw
    C_FAR,  # how far blanks may reach across a piece without taper; -1 with one
    C_RIP_FIRST,  # 1: u runs across the width, so segments are made by ripping
    C_STAGES,  # changes of direction allowed, the first counted
    C_OFF_U,  # least leftover along u that is an offcut
    C_OFF_FULL,  # 1: a leftover as wide as the stock is wide enough to be an offcut
    C_NEAR,  # where its near losses start
    C_BLOCKS,  # where its block lists start in the table of lists
    C_OPTIONS,  # where its rows start in the option index
    C_STOCK,  # which stock item it is
    C_COLUMNS,
) = range(18)

# Columns of the node table.
(
    N_CLASS,
    N_US,
    N_UE,
    N_V1,
    N_V2,
    N_UC,
    N_NEAR,
    N_SU,
    N_SE,
    N_SV,
    N_COUNT,
    N_COLUMNS,
) = range(12)

# Columns of a placement.
(
    P_PARENT,
    P_OPTION,
    P_MODE,
    P_CLASS,
    P_U1,
    P_V1,
    P_U2,
    P_V2,
    P_US,
    P_NEAR,
    P_COLUMNS,
) = range(11)

STACKED, BESIDE, STRIP, SECTION, OPENED = range(5)
