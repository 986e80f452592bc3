/* writes weib.bin: 100,000 units of shape 1.7 and scale 1500, watched for 100 to 1200; age and whether it failed, as doubles */
#include <stdio.h>
#include <math.h>
#include <stdint.h>
static uint64_t state = 7;
static double uniform(void) { /* splitmix64 */
	uint64_t z = state += 0x9e3779b97f4a7c15u;
	z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
	z = (z ^ z >> 27) * 0x94d049bb133111ebu;
	return ((z ^ z >> 31) >> 11) * 0x1p-53;
}
int main(void) {
	FILE *f = fopen("weib.bin", "wb");
	if (!f) return 1;
	for (int i = 0; i < 100000; i++) {
		double failure = 1500 * pow(-log1p(-uniform()), 1 / 1.7), watched = 100 + 1100 * uniform();
		double row[2] = {fmin(failure, watched), failure <= watched};
		fwrite(row, sizeof row, 1, f);
	}
	return fclose(f) != 0;
}
