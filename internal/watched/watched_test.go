package watched

import "testing"

func TestContext_EndsAtItsLook(t *testing.T) {
	c := New(3)
	var kept []byte
	for i := 1; i <= 4; i++ {
		if err := c.Err(); (err != nil) != (i >= 3) {
			t.Fatalf("look %d: %v", i, err)
		}
		kept = append(kept, make([]byte, 4<<20)...)
	}
	if c.Looks() != 4 || c.MostBytes() < 4<<20 || c.BytesSince() < 8<<20 || len(kept) != 16<<20 {
		t.Errorf("%d looks, at most %d bytes between two, %d since the end", c.Looks(), c.MostBytes(), c.BytesSince())
	}
}
