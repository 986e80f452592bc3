/* Weibull fit of 100,000 units and profile limits of the shape, plain sums and Newton steps: the reference that BenchmarkWeibull is held to. Reads weib.bin of weib_gen. */
#include <stdio.h>
#include <stdlib.h>
#include <math.h>
#include <time.h>
static double now(void){struct timespec t;clock_gettime(CLOCK_MONOTONIC,&t);return t.tv_sec+1e-9*t.tv_nsec;}
static int cmpd(const void*a,const void*b){double x=*(double*)a,y=*(double*)b;return (x>y)-(x<y);}
#define N 100000
static double x[N],d[N],l[N];static double r,sl,xm;static int ev;
static void S(double b,double*s){double a=0,c=0,e=0;ev++;
#pragma omp simd reduction(+:a,c,e)
 for(int i=0;i<N;i++){double w=exp(b*l[i]),q=w*l[i];a+=w;c+=q;e+=q*l[i];}s[0]=a;s[1]=c;s[2]=e;}
int main(){FILE*f=fopen("weib.bin","rb");for(int i=0;i<N;i++){double t[2];if(fread(t,8,2,f)!=2)return 1;x[i]=t[0];d[i]=t[1];}
 double T[15],b,eta,lo,hi;
 for(int k=0;k<15;k++){ev=0;double t0=now();xm=-1e9;r=0;sl=0;for(int i=0;i<N;i++){l[i]=log(x[i]);if(l[i]>xm)xm=l[i];}for(int i=0;i<N;i++){l[i]-=xm;r+=d[i];sl+=d[i]*l[i];}
  double s[3];b=1;for(;;){S(b,s);double m=s[1]/s[0],g=r/b+sl-r*m,h=-r/(b*b)-r*(s[2]/s[0]-m*m),st=g/h;if(b-st<=0)st=b/2;b-=st;if(fabs(st)<1e-9*b)break;}
  S(b,s);double L0=r*log(b)+(b-1)*sl-r*log(s[0]/r),c=3.841458820694124/2;eta=exp(log(s[0]/r)/b+xm);double m=s[1]/s[0],h=r/(b*b)+r*(s[2]/s[0]-m*m),se=1/sqrt(h);
  for(int q=0;q<2;q++){double z=b+(q?1:-1)*1.96*se;for(;;){S(z,s);double F=r*log(z)+(z-1)*sl-r*log(s[0]/r)-L0+c,g=r/z+sl-r*s[1]/s[0],st=F/g;z-=st;if(fabs(st)<1e-9*z)break;}if(q)hi=z;else lo=z;}
  T[k]=now()-t0;}
 qsort(T,15,8,cmpd);printf("C weibull: median %.5f s, evals %d, shape %.9f scale %.7f interval %.9f %.9f\n",T[7],ev,b,eta,lo,hi);}
