// The model's kernel again, in C++: the same closed forms, tables and skips as src/model, on scenarios that main.mjs
// writes out. Systems come decomposed and stretches with their switch instants; from there on it solves the nodes
// (zones.ts), the air of every zone (air-track.ts) and every part (part.ts). Modes that turn and parts with heaters of
// their own are left out: the scenarios have none.
//
//     kernel scenario.bin repeats answers.bin
//
// Prints nanoseconds of CPU time per member, the best of the repeats: nodes, air, parts leaving at first damage, parts
// to the end. Answers are the instants of both, by member and part.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <limits>
#include <vector>

namespace {

constexpr int kModes = 5, kNodes = 4, kRow = 3 + kModes, kWinds = 95;
constexpr double kHour = 3600, kSharpest = 1e-9, kClose = 0.02, kShortest = 1e-6, kForgotten = 36;
constexpr double kInfinity = std::numeric_limits<double>::infinity();

struct System {
  int windClass, n;
  std::vector<double> alpha, hourGrowth, hourIntegral, vectors, inverseVectors, inverseA;
  std::vector<double> perOutside, perGround, perLimit, constant;
};
struct Stretch {
  int hour, system;
  double startS, durationS, limitW, outsideA, outsideB, groundA, groundB;
  double tends[kNodes], slope[kNodes], weight[kNodes];
};
struct Member {
  std::vector<double> start;
  std::vector<Stretch> stretches;
};
struct Zone {
  double lagS, outsideWeight;
  std::vector<int> rows;
  std::vector<double> weights;
};
struct Part {
  int zone;
  double liquid, solid, latent, full, blocked, solidTaken, startC;
  std::vector<double> conductance;
};
struct Piece {
  double a, b, integral, startS, durationS;
  double p[kModes], endP[kModes];
  int wind, system, turn, modes;
  bool whole;
  int8_t sign;
};

double offResonance(double re, double rate) {
  const double detuned = 1e-8 * rate;
  return std::fabs(re) < detuned ? detuned : re;
}

struct Moment {
  double airC, slope, kelvinSeconds, followedC;
};

/** What a zone keeps of a system, by mode, the zone's own last. */
struct Rates {
  bool met = false;
  double alpha[kModes], growth[kModes], integral[kModes], takes[kModes];
};

struct Air {
  const Zone *zone = nullptr;
  const std::vector<System> *systems = nullptr;
  std::vector<Piece> pieces;
  int count = 0;
  bool goesBelow = false;
  std::vector<Rates> rates;

  const Rates &meet(int index) {
    Rates &r = rates[index];
    if (r.met) return r;
    r.met = true;
    const System &system = (*systems)[index];
    const int own = zone->rows.empty() ? 0 : system.n;
    for (int k = 0; k < own; k++) {
      double takes = 0;
      for (size_t i = 0; i < zone->rows.size(); i++)
        takes += zone->weights[i] * system.vectors[static_cast<size_t>(zone->rows[i]) * kNodes + k];
      r.alpha[k] = system.alpha[k];
      r.growth[k] = system.hourGrowth[k];
      r.integral[k] = system.hourIntegral[k];
      r.takes[k] = takes / offResonance(1 + system.alpha[k] * zone->lagS, 1);
    }
    if (zone->lagS > 0) {
      r.alpha[own] = -1 / zone->lagS;
      r.growth[own] = std::exp(-kHour / zone->lagS);
      r.integral[own] = -std::expm1(-kHour / zone->lagS) * zone->lagS;
    }
    return r;
  }
  Moment look(const Piece &x, double t, double rate) const {
    double y = x.a + x.b * t, slope = x.b, sum = t * (x.a + x.b * t / 2), followed = y - x.b / rate;
    const double *alphas = rates[x.system].alpha;
    for (int k = 0; k < x.modes; k++) {
      const double alpha = alphas[k], p1 = x.p[k] * (t == 0 ? 1 : std::exp(alpha * t));
      y += p1;
      slope += alpha * p1;
      sum += (p1 - x.p[k]) / alpha;
      followed += rate * p1 / offResonance(rate + alpha, rate);
    }
    return {y, slope, sum, followed};
  }
  double endOf(const Piece &x) const {
    double y = x.a + x.b * x.durationS;
    for (int k = 0; k < x.modes; k++) y += x.endP[k];
    return y;
  }
};

struct Course {
  double a, b, alpha[kModes], p[kModes];
  int count;

  /** First instant from which sign·(course − level) is below zero. */
  double firstBelow(double from, double to, double sign, double level) const {
    double first = sign * (a - level + from * b), last = sign * (a - level + to * b);
    double low = std::min(first, last), flattest = sign * b, steepest = sign * b;
    for (int k = 0; k < count; k++) {
      const double y0 = sign * p[k] * std::exp(alpha[k] * from), y1 = sign * p[k] * std::exp(alpha[k] * to);
      first += y0;
      last += y1;
      low += std::min(y0, y1);
      flattest += std::min(alpha[k] * y0, alpha[k] * y1);
      steepest += std::max(alpha[k] * y0, alpha[k] * y1);
    }
    if (low >= 0) return kInfinity;
    if (first < 0) return from;
    if (flattest >= 0) return kInfinity;
    if (steepest <= 0) return last < 0 ? root(from, to, first, last, sign, level) : kInfinity;
    if (to - from < kShortest) return last < 0 ? to : kInfinity;
    const double middle = (from + to) / 2, found = firstBelow(from, middle, sign, level);
    return found < kInfinity ? found : firstBelow(middle, to, sign, level);
  }
  double root(double low, double high, double first, double last, double sign, double level) const {
    if (first <= 0) return low;
    double t = (low * last - high * first) / (last - first);
    for (int i = 0; i < 200 && high - low > kSharpest; i++) {
      double value = a - level + t * b, slope = b, bend = 0;
      for (int k = 0; k < count; k++) {
        const double y = p[k] * std::exp(alpha[k] * t);
        value += y;
        slope += alpha[k] * y;
        bend += alpha[k] * alpha[k] * y;
      }
      (sign * value > 0 ? low : high) = t;
      const double newton = -value / slope, bent = newton * bend / (2 * slope), next = t + newton / (1 + bent);
      const bool inside = next > low && next < high;
      t = inside ? next : (low + high) / 2;
      if (inside && std::fabs(newton) < kClose && std::fabs(newton * bent * bent) < kSharpest) break;
    }
    return t;
  }
};

/** Adds a piece of a course. */
void add(Air &air, const Stretch &s, const Course &course, double from, double to) {
  if (air.count == static_cast<int>(air.pieces.size())) air.pieces.resize(std::max(512, 2 * air.count));
  Piece &x = air.pieces[air.count++];
  x.durationS = to - from;
  x.a = course.a + from * course.b;
  x.b = course.b;
  x.modes = course.count;
  double middle = x.a + x.durationS * x.b / 2, sum = x.durationS * middle;
  for (int k = 0; k < course.count; k++) {
    x.p[k] = from == 0 ? course.p[k] : course.p[k] * std::exp(course.alpha[k] * from);
    x.endP[k] = x.p[k] * std::exp(course.alpha[k] * x.durationS);
    sum += x.p[k] * std::expm1(course.alpha[k] * x.durationS) / course.alpha[k];
    middle += x.p[k] * std::exp(course.alpha[k] * x.durationS / 2);
  }
  x.integral = sum;
  x.sign = middle < 0 ? -1 : 1;
  x.whole = x.durationS == kHour;
  x.startS = s.startS + from;
  x.wind = (*air.systems)[s.system].windClass;
  x.system = s.system;
  if (x.sign < 0) air.goesBelow = true;
}

void cut(Air &air, const Stretch &s, const Course &course) {
  for (double from = 0; from < s.durationS;) {
    double to = s.durationS;
    if (course.count == 0) {
      const double at = course.b == 0 ? to : -course.a / course.b;
      if (at > from + kShortest && at < to) to = at;
    } else if (const double after = from + kShortest; after < to) {
      const double above = course.firstBelow(after, to, 1, 0);
      if (above < kInfinity && above > after) to = above;
      else if (above < kInfinity) {
        const double below = course.firstBelow(after, to, -1, 0);
        if (below > after && below < to) to = below;
      }
    }
    add(air, s, course, from, to);
    from = to;
  }
}

void fill(Air &air, const Member &member) {
  const Zone &zone = *air.zone;
  const double lagS = zone.lagS;
  air.count = 0;
  air.goesBelow = false;
  double lagged = std::nan("");
  for (const Stretch &s : member.stretches) {
    const System &system = (*air.systems)[s.system];
    const Rates &rates = air.meet(s.system);
    const int own = zone.rows.empty() ? 0 : system.n;
    if (air.count == static_cast<int>(air.pieces.size())) air.pieces.resize(std::max(512, 2 * air.count));
    Piece &x = air.pieces[air.count];
    double a = zone.outsideWeight * s.outsideA, b = zone.outsideWeight * s.outsideB;
    for (size_t r = 0; r < zone.rows.size(); r++) {
      const int row = zone.rows[r];
      const double weight = zone.weights[r];
      a += weight * s.tends[row];
      b += weight * s.slope[row];
    }
    if (lagS > 0 && std::isnan(lagged)) {
      lagged = a;
      for (int k = 0; k < own; k++) lagged += s.weight[k] * rates.takes[k] * offResonance(1 + system.alpha[k] * lagS, 1);
    }
    a -= b * lagS;
    const bool whole = s.durationS == kHour;
    double start = a, end = a + b * s.durationS, low = std::min(a, end), high = std::max(a, end);
    double sum = s.durationS * (a + b * s.durationS / 2);
    const auto mode = [&](int k, double p0) {
      const double growth = whole ? rates.growth[k] : std::exp(rates.alpha[k] * s.durationS);
      const double p1 = p0 * growth;
      x.p[k] = p0;
      x.endP[k] = p1;
      end += p1;
      low += std::min(p0, p1);
      high += std::max(p0, p1);
      sum += p0 * (whole ? rates.integral[k] : (growth - 1) / rates.alpha[k]);
    };
    for (int k = 0; k < own; k++) {
      const double p0 = s.weight[k] * rates.takes[k];
      start += p0;
      mode(k, p0);
    }
    if (lagS > 0) {
      mode(own, lagged - start);
      lagged = end;
    }
    x.a = a;
    x.b = b;
    x.modes = lagS > 0 ? own + 1 : own;
    x.system = s.system;
    if (low <= 0 && high >= 0) {
      Course course;
      course.a = a;
      course.b = b;
      course.count = x.modes;
      for (int k = 0; k < x.modes; k++) {
        course.alpha[k] = rates.alpha[k];
        course.p[k] = x.p[k];
      }
      cut(air, s, course);
      continue;
    }
    x.integral = sum;
    x.sign = low > 0 ? 1 : -1;
    x.whole = whole;
    x.startS = s.startS;
    x.durationS = s.durationS;
    x.wind = system.windClass;
    if (x.sign < 0) air.goesBelow = true;
    air.count++;
  }
  for (int i = air.count - 1; i >= 0; i--)
    air.pieces[i].turn = i + 1 < air.count && air.pieces[i + 1].sign == air.pieces[i].sign ? air.pieces[i + 1].turn : i + 1;
}

/** Nodes of a member through its stretches. */
void solve(Member &member, const std::vector<System> &systems, int nodes) {
  double temperature[kNodes] = {};
  for (int i = 0; i < nodes; i++) temperature[i] = member.start[i];
  for (Stretch &s : member.stretches) {
    const System &system = systems[s.system];
    const int n = system.n;
    double reached[kNodes];
    for (int i = 0; i < n; i++) s.slope[i] = system.perOutside[i] * s.outsideB + system.perGround[i] * s.groundB;
    for (int i = 0; i < n; i++) {
      double sum = system.perOutside[i] * s.outsideA + system.perGround[i] * s.groundA + system.perLimit[i] * s.limitW +
                   system.constant[i];
      for (int j = 0; j < n; j++) sum += system.inverseA[i * kNodes + j] * s.slope[j];
      s.tends[i] = sum;
    }
    for (int k = 0; k < n; k++) {
      double sum = 0;
      for (int j = 0; j < n; j++) sum += system.inverseVectors[k * kNodes + j] * (temperature[j] - s.tends[j]);
      s.weight[k] = sum;
      reached[k] = sum * (s.durationS == kHour ? system.hourGrowth[k] : std::exp(system.alpha[k] * s.durationS));
    }
    for (int i = 0; i < n; i++) {
      double y = s.tends[i] + s.durationS * s.slope[i];
      for (int k = 0; k < n; k++) y += system.vectors[i * kNodes + k] * reached[k];
      temperature[i] = y;
    }
  }
}

struct Body {
  enum Phase { kLiquid, kIce, kSolid };
  const Part *part = nullptr;
  Phase phase = kLiquid;
  double temperatureC = 0, taken = 0, blockedS = 0;
  std::vector<double> liquidRow, solidRow;

  double rate(int wind) const { return part->conductance[wind] / (phase == kLiquid ? part->liquid : part->solid); }

  const double *row(const Air &air, const Piece &x) {
    std::vector<double> &rows = phase == kLiquid ? liquidRow : solidRow;
    double *r = &rows[static_cast<size_t>(x.system) * kRow];
    if (r[1] != 0) return r;
    const double rate = this->rate(x.wind);
    r[0] = std::exp(-rate * kHour);
    r[1] = -std::expm1(-rate * kHour);
    r[2] = kHour - r[1] / rate;
    for (int k = 0; k < x.modes; k++) {
      const double re = offResonance(rate + air.rates[x.system].alpha[k], rate);
      r[3 + k] = rate / re * (air.rates[x.system].growth[k] - r[0]);
    }
    return r;
  }

  /** Moves on from the start of a piece until it is blocked; returns that piece, or the count. */
  int untilBlocked(const Air &air, int from) {
    const int to = air.count;
    const Piece *pieces = air.pieces.data();
    for (int i = from; i < to; i++) {
      i = phase == kIce ? pileUp(pieces, i, to) : follow(air, i, to);
      if (i >= to) break;
      blockedS = std::nan("");
      cross(air, pieces[i], pieces[i].wind);
      if (!std::isnan(blockedS)) return i;
    }
    return to;
  }

  int pileUp(const Piece *pieces, int i, int to) {
    const double full = part->full, blocked = part->blocked, solid = part->solidTaken;
    double sigma = taken;
    for (; i < to; i++) {
      const double next = sigma - part->conductance[pieces[i].wind] / part->latent * pieces[i].integral;
      if (pieces[i].sign > 0 ? next <= 0
                             : next >= full || (sigma < blocked && next >= blocked) || (sigma < solid && next >= solid))
        break;
      sigma = next;
    }
    taken = sigma;
    return i;
  }

  int follow(const Air &air, int i, int to) {
    const Piece *pieces = air.pieces.data();
    const int side = phase == kLiquid ? 1 : -1;
    double y = temperatureC;
    for (int met = i; i < to; i++) {
      if (pieces[i].sign == side && i >= met) {
        met = pieces[i].turn;
        if (met >= to) return to;
        int back = met;
        const double forgottenS = pieces[back].startS - kForgotten / rate(0);
        while (back > i && pieces[back].startS > forgottenS) back--;
        i = back;
      }
      const Piece &x = pieces[i];
      double end;
      if (x.whole) {
        const double *r = row(air, x);
        end = r[0] * y + r[1] * x.a + r[2] * x.b;
        for (int k = 0; k < x.modes; k++) end += r[3 + k] * x.p[k];
      } else {
        const double rate = this->rate(x.wind);
        double start = x.a - x.b / rate;
        end = start + x.b * x.durationS;
        const double *alphas = air.rates[x.system].alpha;
        for (int k = 0; k < x.modes; k++) {
          const double scale = 1 / offResonance(rate + alphas[k], rate);
          start += scale * x.p[k] * rate;
          end += scale * x.endP[k] * rate;
        }
        end += (y - start) * std::exp(-rate * x.durationS);
      }
      if (x.sign != side && (side > 0 ? end < 0 : end > 0)) break;
      y = side > 0 ? std::max(0.0, end) : std::min(0.0, end);
    }
    temperatureC = y;
    return i;
  }

  void cross(const Air &air, const Piece &x, int wind) {
    double from = 0;
    while (from < x.durationS) from = phase == kIce ? crossIce(air, x, wind, from) : crossMoving(air, x, wind, from);
  }

  double crossMoving(const Air &air, const Piece &x, int wind, double from) {
    const bool liquid = phase == kLiquid;
    const double rate = this->rate(wind);
    const Moment first = air.look(x, from, rate);
    const double gap = temperatureC - first.followedC, endS = x.durationS;
    const auto bodyAt = [&](const Moment &m, double t) { return m.followedC + gap * std::exp(-rate * (t - from)); };
    const double end = bodyAt(air.look(x, endS, rate), endS);
    if (!(liquid ? x.sign < 0 && end < 0 : x.sign > 0 && end > 0)) {
      temperatureC = liquid ? std::max(0.0, end) : std::min(0.0, end);
      return endS;
    }
    double t = from;
    if (temperatureC != 0) {
      double low = from, high = endS;
      const double sign = temperatureC > 0 ? 1 : -1, all = high - low, start = rate * (first.airC - temperatureC);
      const double bend = (end - temperatureC - start * all) / (all * all);
      t = low + 2 * temperatureC / (sign * std::sqrt(start * start - 4 * bend * temperatureC) - start);
      if (!(t > low && t < high)) t = (low * end - high * temperatureC) / (end - temperatureC);
      for (int n = 0; n < 200 && high - low > kSharpest; n++) {
        const Moment m = air.look(x, t, rate);
        const double y = bodyAt(m, t);
        (sign * y > 0 ? low : high) = t;
        const double slope = rate * (m.airC - y), newton = -y / slope;
        const double bent = newton * rate * (m.slope - slope) / (2 * slope), next = t + newton / (1 + bent);
        const bool inside = next > low && next < high;
        t = inside ? next : (low + high) / 2;
        if (inside && std::fabs(newton) < kClose && std::fabs(newton * bent * bent) < kSharpest) break;
      }
    }
    temperatureC = 0;
    phase = kIce;
    taken = liquid ? 0 : part->full;
    return t;
  }

  double crossIce(const Air &air, const Piece &x, int wind, double from) {
    const double rate = part->conductance[wind] / part->latent, start = taken;
    const Moment first = air.look(x, from, 1);
    const double before = first.kelvinSeconds, end = start - rate * (x.integral - before);
    const auto reach = [&](double kelvinSeconds) {
      double low = from, high = x.durationS;
      const double sign = x.sign, y0 = sign * first.airC, change = (sign * air.endOf(x) - y0) / (high - low);
      const double needed = sign * kelvinSeconds;
      double t = from + 2 * needed / (y0 + std::sqrt(y0 * y0 + 2 * change * needed));
      if (!(t > low && t < high)) t = (low + high) / 2;
      for (int n = 0; n < 200 && high - low > kSharpest; n++) {
        const Moment m = air.look(x, t, 1);
        const double left = sign * (kelvinSeconds - (m.kelvinSeconds - before));
        (left > 0 ? low : high) = t;
        const double slope = sign * m.airC, newton = left / slope, bent = sign * newton * m.slope / (2 * slope);
        const double next = t + newton / (1 + bent);
        const bool inside = next > low && next < high;
        t = inside ? next : (low + high) / 2;
        if (inside && std::fabs(newton) < kClose && std::fabs(newton * bent * bent) < kSharpest) break;
      }
      return t;
    };
    temperatureC = 0;
    if (x.sign > 0) {
      taken = std::max(0.0, end);
      if (end > 0) return x.durationS;
      phase = kLiquid;
      return reach(start / rate);
    }
    if (start < part->blocked && end >= part->blocked) blockedS = reach((start - part->blocked) / rate);
    taken = std::min(end, part->full);
    if (end < part->full) return x.durationS;
    phase = kSolid;
    return reach((start - part->full) / rate);
  }

  /** First time it is blocked, or the last; infinite if never. */
  double run(const Air &air, bool leave) {
    double found = leave ? kInfinity : -kInfinity;
    if (!air.goesBelow) return found;
    const Piece &first = air.pieces[0];
    phase = kLiquid;
    taken = 0;
    temperatureC = std::isnan(part->startC) ? std::max(0.0, air.look(first, 0, 1).airC) : part->startC;
    for (int i = 0; (i = untilBlocked(air, i)) < air.count; i++) {
      found = air.pieces[i].startS + blockedS;
      if (leave) break;
    }
    return found;
  }
};

/** Numbers in a row. */
struct Reader {
  std::vector<double> values;
  size_t at = 0;
  double next() { return values[at++]; }
  int integer() { return static_cast<int>(next()); }
  std::vector<double> list(int n) {
    std::vector<double> out(n);
    for (double &x : out) x = next();
    return out;
  }
  std::vector<int> integers(int n) {
    std::vector<int> out(n);
    for (int &x : out) x = integer();
    return out;
  }
};

double nowNs() {
  timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return t.tv_sec * 1e9 + t.tv_nsec;
}

}  // namespace

int main(int argc, char **argv) {
  if (argc != 4) return 2;
  Reader in;
  FILE *file = std::fopen(argv[1], "rb");
  for (double x; std::fread(&x, sizeof x, 1, file) == 1;) in.values.push_back(x);
  std::fclose(file);
  const int repeats = std::atoi(argv[2]), nodes = in.integer();
  std::vector<System> systems(in.integer());
  for (System &s : systems) {
    s.windClass = in.integer();
    s.n = in.integer();
    for (auto *v : {&s.alpha, &s.hourGrowth, &s.hourIntegral}) *v = in.list(kNodes);
    for (auto *v : {&s.vectors, &s.inverseVectors, &s.inverseA}) *v = in.list(kNodes * kNodes);
    for (auto *v : {&s.perOutside, &s.perGround, &s.perLimit, &s.constant}) *v = in.list(nodes);
  }
  std::vector<Zone> zones(in.integer());
  for (Zone &z : zones) {
    z.lagS = in.next();
    z.outsideWeight = in.next();
    const int drawn = in.integer();
    z.rows = in.integers(drawn);
    z.weights = in.list(drawn);
  }
  std::vector<Part> parts(in.integer());
  for (Part &p : parts) {
    p.zone = in.integer();
    for (double *x : {&p.liquid, &p.solid, &p.latent, &p.full, &p.blocked, &p.solidTaken, &p.startC}) *x = in.next();
    p.conductance = in.list(kWinds);
  }
  std::vector<Member> members(in.integer());
  for (Member &m : members) {
    m.start = in.list(nodes);
    m.stretches.resize(in.integer());
    for (Stretch &s : m.stretches) {
      s.hour = in.integer();
      s.system = in.integer();
      for (double *x : {&s.startS, &s.durationS, &s.limitW, &s.outsideA, &s.outsideB, &s.groundA, &s.groundB})
        *x = in.next();
    }
  }
  std::vector<Air> airs(zones.size());
  for (size_t z = 0; z < zones.size(); z++) {
    airs[z].zone = &zones[z];
    airs[z].systems = &systems;
    airs[z].rates.resize(systems.size());
  }
  std::vector<Body> bodies(parts.size());
  for (size_t i = 0; i < parts.size(); i++) {
    bodies[i].part = &parts[i];
    bodies[i].liquidRow.assign(systems.size() * kRow, 0);
    bodies[i].solidRow.assign(systems.size() * kRow, 0);
  }
  std::vector<double> answers(2 * members.size() * parts.size());
  double best[4] = {kInfinity, kInfinity, kInfinity, kInfinity};
  for (int repeat = 0; repeat < repeats; repeat++) {
    double spent[4] = {};
    size_t at = 0;
    for (Member &m : members) {
      double t = nowNs();
      const auto lap = [&](int stage) {
        const double now = nowNs();
        spent[stage] += now - t;
        t = now;
      };
      solve(m, systems, nodes);
      lap(0);
      for (Air &air : airs) fill(air, m);
      lap(1);
      for (Body &b : bodies) answers[at++] = b.run(airs[b.part->zone], true);
      lap(2);
      for (Body &b : bodies) answers[at++] = b.run(airs[b.part->zone], false);
      lap(3);
    }
    for (int i = 0; i < 4; i++) best[i] = std::min(best[i], spent[i]);
  }
  for (double x : best) std::printf("%.0f ", x / members.size());
  file = std::fopen(argv[3], "wb");
  std::fwrite(answers.data(), sizeof(double), answers.size(), file);
  std::fclose(file);
}
