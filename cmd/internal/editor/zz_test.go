package editor
import ("testing";"fmt";"ferrule/lang/parser";"ferrule/lang/source")
func TestZZ(t *testing.T){
 for _, tail := range []string{"rule r \"R\"\n  for neighbours among ", "allowance cap 1/8 ","rule r \"R\"\n  for every iron\n  require kind "} {
 r := house.ask(t,"main.ferrule",zzHead+tail)
 b, offset := r.doc.Books(), r.doc.Offset(r.Position)
 g, ok := b.gapAt(offset, offset)
 fmt.Printf("%v before=%q after=%q written=%d head=%q clause=%v\n", ok, g.before, g.after, g.written, g.head, len(g.clause))
 for _, l := range []string{"at","in","iron","soled"} {
 text, ok := g.closed(item{Label:l, Kind: keywordItem}); fmt.Printf("%s %q %v\n", l, text, ok)
 _, list := parser.Parse(source.NewFile("", text+"\n")); for _, m := range list { fmt.Println("   ", m.Code, m.Span.Start, m.Span.End, m.Message, m.Expected) }
 }}
}

const zzHead = `rulebook "X"
use methods
use equipment-rules only lie-angle
property junior yes-no
property grip text one of "A", "B"
property made date
property old-length length by soled
let tilt = 3 deg
chart bends of lie per club
  iron = 60 deg
group woods = driver, fairway
`
