package terrain_test
import ("testing";"fmt";"math";"time")
func TestZZ(t *testing.T){
 for _,slope:=range []float64{.2,.4,.67}{ for _,rough:=range []bool{false,true}{ for _,cell:=range []float64{1,10,30,90}{
  st:=time.Now()
  line:=""
  for _,off:=range []float64{0,3,-3,5,-5}{
   var s1,s2,n float64; corr:=0.0; cn:=0.0
   for seed:=uint64(1);seed<=4;seed++{
    h:=newHillside(slope,rough,seed,1500)
    pts:=h.line(off)
    g,err:=h.raster(cell,pts...)
    if err!=nil{t.Fatal(err)}
    var e []float64
    for i,s:=range at(t,g,pts...){ if s.Why!=0 {t.Fatal(s)}; e=append(e,s.ZM-roadHeight(h.lineXM[i])) }
    for _,v:=range e{s1+=v;s2+=v*v;n++}
    if off==0 { corr+=corrLen(e)*pointStepM; cn++}
   }
   m:=s1/n; rms:=math.Sqrt(s2/n); sd:=math.Sqrt(s2/n-m*m)
   line+=fmt.Sprintf(" off %2.0f mean %6.2f sd %5.2f rms/t %5.2f;",off,m,sd,rms/slope)
   if off==0 { line+=fmt.Sprintf(" k %.3f corr %.2f cells;",sd/slope/cell,corr/cn/cell)}
  }
  fmt.Printf("%.2f %v %3.0f %s %v\n",slope,rough,cell,line,time.Since(st).Round(time.Millisecond))
 }}}
}
func corrLen(e []float64) float64 {
 n:=len(e); m:=0.0; for _,v:=range e{m+=v}; m/=float64(n)
 c:=func(l int) float64 { s:=0.0; for i:=0;i+l<n;i++{s+=(e[i]-m)*(e[i+l]-m)}; return s/float64(n-l)}
 c0:=c(0)
 for l:=1;l<n/2;l++{ if c(l)<c0/math.E { a,b:=c(l-1)/c0,c(l)/c0; return float64(l-1)+(a-1/math.E)/(a-b)} }
 return float64(n/2)
}
