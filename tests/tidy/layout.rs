//! What a text looks like when it is laid out.

use super::tidied;

const UGLY: &str = "\u{feff}
#  The Larkspur barn
Farm   larkspur-bend \"Larkspur   Bend\"#not a remark
\ttimezone\tAmerica/Boise
block creek-pear   \"Creek pears\"   # five rows are old


  Crop pear,quince ,  apple # winter
      area 1.2 acres   from 2024-03-01#x
    rows 1 to 14,16feet apart

    # a remark of its own
\twrong line   here  # and why
person t-marsh \"Tansy Marsh\"
# The mixes.
mix leaf-tonic
 in 1 Gallon
 put magnesium-sulfate 1/2 ounce   per 100 gallons
  put soap 1 1/2  Fluid Ounces
2026-05-14   Thu # late
spray creek-pear   rows 1 to 9 ,12
    MIX leaf-tonic,60gal
    measured magnesium-sulfate 24 OZ. wt, lot  7   b
    weather 22:30 52 deg F,wind 3 miles per hour NW , leaves   dry
    leftover 8 gallons on creek-pear rows 10 to 11,  the  rest on   the grass
    licence PA  2207
    Note Two things:

        - the corner
\t\t\t- the grafts


            code   block # kept
    every 14 day

accept round-late because   of rain


";

#[test]
fn an_ugly_page() {
    insta::assert_snapshot!(tidied(UGLY));
}
