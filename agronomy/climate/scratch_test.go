package climate
import ("testing";"fmt")
func TestScratch(t *testing.T){
	r:=Rain{Chain{.2,.45},Amounts{Shape:.8,Scale:8}}
	fmt.Println(r.WetShare(), AtLeastOnce(Steady(r,3),0,0),AtLeastOnce(Steady(r,7),0,0),r.Over(6.35),r.Over(12.7),r.Over(25.4))
	for _,k:=range []int{3,5,7,10}{ fmt.Println(AtLeastOnce(Steady(r,k),0,12.7),AtLeastOnce(Steady(r,k),0,6.35)) }
	fmt.Println(WetDays(Steady(r,14),.3)); c:=CountWetDays(Steady(r,14),.3,5000000,1)
	for _,n:=range c { fmt.Print(float64(n)/5e6," ")}
}
func BenchmarkLanes(b *testing.B){
	r:=Steady(Rain{Chain{.2,.45},Amounts{Shape:.8,Scale:8}},14)
	for b.Loop(){ CountWetDays(r,.3,50000,1)}
}
