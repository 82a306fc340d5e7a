/* 1,000 x 50,000 sequences of 14 days of a chain of dry and wet days, one day after the other, as a compiled
   program would do it plainly: cc -O3 -march=native simulate.c -o simulate; ./simulate */
#include <stdint.h>
#include <stdio.h>

static uint64_t s = 8;
static inline uint64_t next(void) { s ^= s << 13; s ^= s >> 7; s ^= s << 17; return s; }

int main(void) {
  const uint64_t dry = (uint64_t)(0.20 * 4294967296.0), wet = (uint64_t)(0.42 * 4294967296.0), first = (uint64_t)(0.3 * 4294967296.0);
  double days = 0, many = 0;
  for (int station = 0; station < 1000; station++)
    for (int k = 0; k < 50000; k++) {
      int w = (next() >> 32) < first, n = 0;
      for (int day = 0; day < 14; day++) {
        w = (next() >> 32) < (w ? wet : dry);
        n += w;
      }
      days += n;
      many += n >= 6;
    }
  printf("mean wet days %.5f, 6 or more %.5f\n", days / 5e7, many / 5e7);
  return 0;
}
