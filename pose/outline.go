package pose

func (p Pose) draw(f *Figure, s *shaper, place *stance, t bust, skull, throat, trunk grid, hands [2]Vec) {
}
