package specfile_test
import ("testing";"strings";"time";"fmt";"drawbar/vehicle/specfile")
func TestAdv(t *testing.T){
 mk:=func(unit func(i int)string)string{var b strings.Builder;for i:=0;b.Len()<64000;i++{b.WriteString(unit(i))};return b.String()}
 for n,s:=range map[string]string{
  "flat":mk(func(i int)string{return fmt.Sprintf("k%d: 1\n",i)}),
  "units":"units:\n"+mk(func(i int)string{return "  - kind: rigid\n"}),
  "flowlist":"units: ["+mk(func(i int)string{return "1, "})+"]",
  "flowmaps":"units: ["+mk(func(i int)string{return "{}, "})+"]",
  "flowmap":"{"+mk(func(i int)string{return fmt.Sprintf("k%d: 1, ",i)})+"}",
  "comments":mk(func(i int)string{return "# x\n"})+"a: b",
  "docs":mk(func(i int)string{return "---\n"}),
  "quotes":mk(func(i int)string{return "'\n"}),
  "literal":"note: |\n"+mk(func(i int)string{return "  x\n"}),
  "plain":"note: a\n"+mk(func(i int)string{return "  x\n"}),
  "dquot":"note: \""+mk(func(i int)string{return "\\x41"})+"\"",
  "blank":"a: b"+mk(func(i int)string{return "\n"}),
  "question":mk(func(i int)string{return "? a\n"}),
  "colon":mk(func(i int)string{return "a:\n"}),
  "brk": mk(func(i int)string{return "]\n"}),
 }{ st:=time.Now(); _,err:=specfile.Read(strings.NewReader(s),"f"); e:=""; if err!=nil{e=err.Error()}; t.Log(n,time.Since(st),len(e), e[:min(100,len(e))])}
}
