// The sums of the objective and their gradients; one block works on one utterance.
//
// Both kernels go through time twice. On the way forward they keep, for each frame and state, the
// score of all ways that arrive in the state at this frame and of those that stay in it: the two
// halves of its forward score. On the way back the halves times the backward score are the
// posterior probabilities of the two outputs, so nothing is summed twice.
//
// PHONES is given to the compiler. Of pair c = left * PHONES + phone, output 2c scores the first
// frame and 2c + 1 each further one. All scores are relative to the best output of their frame.

#define PAIRS (PHONES * PHONES)
#define OUTPUTS (2 * PAIRS)
#define ROW (PHONES + 4)     // a padded row spreads a column of a matrix over the memory banks
#define WARP 32
#define NEVER (-1e30f)       // logarithm of nought
#define WORST (-60.0f)       // see likelihood()
#define NEGLIGIBLE (-25.0f)  // a posterior below exp of this is lost in the rounding of float32

struct Sum {
    static __device__ float none() { return 0.0f; }
    static __device__ float join(float a, float b) { return a + b; }
};

struct Max {
    static __device__ float none() { return NEVER; }
    static __device__ float join(float a, float b) { return fmaxf(a, b); }
};

// Joins one value of each thread of the block; every thread gets the result. `scratch` holds a
// value a warp and may be used again after the next __syncthreads.
template <typename Operation>
__device__ float over_block(float value, float* scratch) {
    for (int step = WARP / 2; step > 0; step /= 2)
        value = Operation::join(value, __shfl_xor_sync(0xffffffffu, value, step));
    if (threadIdx.x % WARP == 0) scratch[threadIdx.x / WARP] = value;
    __syncthreads();
    float joined = Operation::none();
    for (int warp = 0; warp < blockDim.x / WARP; warp++)
        joined = Operation::join(joined, scratch[warp]);
    return joined;
}

// ---- Any phones: every pair may follow every other that begins with its second phone -----------
//
// A thread works on four neighbouring pairs, a quad, so that the transition probabilities, which
// fill the cache and set the pace, are read sixteen bytes at a time. Probabilities are plain
// numbers, scaled at each frame so that the forward scores sum to one.

struct Quad {
    float of[4];
};

__device__ Quad quad_at(const float* row, int quad) {
    const float4 four = reinterpret_cast<const float4*>(row)[quad];
    return {four.x, four.y, four.z, four.w};
}

// Outputs of the four pairs of a quad: forward and self-loop by turns.
struct QuadOutputs {
    Quad first, second;
};

__device__ QuadOutputs outputs_at(const float* row, int quad) {
    return {quad_at(row, 2 * quad), quad_at(row, 2 * quad + 1)};
}

__device__ float forward_output(const QuadOutputs& outputs, int i) {
    return i < 2 ? outputs.first.of[2 * i] : outputs.second.of[2 * i - 4];
}

__device__ float stay_output(const QuadOutputs& outputs, int i) {
    return i < 2 ? outputs.first.of[2 * i + 1] : outputs.second.of[2 * i - 3];
}

// No output counts as less than exp(WORST) of the best of its frame: far below what changes a sum,
// yet enough that no sum ever vanishes.
__device__ float likelihood(float logit, float best) {
    return __expf(fmaxf(logit - best, WORST));
}

extern "C" __global__ void any_phones(
    const float* __restrict__ logits,          // (B, T, OUTPUTS)
    const float* __restrict__ best,            // (B, T) the greatest logit of each frame
    const int* __restrict__ frames,            // (B)
    const float* __restrict__ follow,          // (PHONES, PHONES, PHONES) at [left, phone, next]
    const float* __restrict__ follow_by_next,  // the same at [next, left, phone]
    const float* __restrict__ start,           // (PAIRS)
    const float* __restrict__ final,           // (PAIRS)
    float* scale,                              // (B, T) what each frame was divided by
    float* total,                              // (B) the sum that is left after the last frame
    float* __restrict__ gradient,              // (B, T, OUTPUTS) minus the posteriors
    int length                                 // T
) {
    __shared__ __align__(16) float shared[PHONES * ROW];
    __shared__ float scratch[WARP];
    const int utterance = blockIdx.x, quad = threadIdx.x;
    const int frame_count = frames[utterance];
    const bool works = quad < PAIRS / 4;
    const int left = 4 * quad / PHONES, phone = 4 * quad % PHONES;
    logits += (size_t)utterance * length * OUTPUTS;
    gradient += (size_t)utterance * length * OUTPUTS;
    best += (size_t)utterance * length;
    scale += (size_t)utterance * length;

    // Forward: shared holds the forward score of each pair.
    Quad heard = {};
    QuadOutputs coming = {};
    if (works) coming = outputs_at(logits, quad);
    for (int time = 0; time < frame_count; time++) {
        const QuadOutputs outputs = coming;
        if (works && time + 1 < frame_count)
            coming = outputs_at(logits + (size_t)(time + 1) * OUTPUTS, quad);
        Quad arrive = {}, stay = {};
        float sum = 0.0f;
        if (works) {
            if (time == 0) {
                arrive = quad_at(start, quad);
            } else {
#pragma unroll 8
                for (int earlier = 0; earlier < PHONES; earlier++) {
                    const float score = shared[earlier * PHONES + left];
                    const Quad next = quad_at(follow + (size_t)earlier * PAIRS, quad);
                    for (int i = 0; i < 4; i++) arrive.of[i] += score * next.of[i];
                }
            }
            for (int i = 0; i < 4; i++) {
                arrive.of[i] *= likelihood(forward_output(outputs, i), best[time]);
                stay.of[i] = heard.of[i] * likelihood(stay_output(outputs, i), best[time]);
                sum += arrive.of[i] + stay.of[i];
            }
        }
        sum = over_block<Sum>(sum, scratch);
        if (threadIdx.x == 0) scale[time] = sum;
        if (works) {
            const float inverse = 1.0f / sum;
            float2* halves = reinterpret_cast<float2*>(gradient + (size_t)time * OUTPUTS);
            for (int i = 0; i < 4; i++) {
                const float2 half = {arrive.of[i] * inverse, stay.of[i] * inverse};
                halves[4 * quad + i] = half;
                heard.of[i] = half.x + half.y;
                shared[4 * quad + i] = heard.of[i];
            }
        }
        __syncthreads();
    }

    Quad ahead = {};  // backward scores, such that forward times backward sums to one
    float sum = 0.0f;
    if (works) {
        ahead = quad_at(final, quad);
        for (int i = 0; i < 4; i++) sum += heard.of[i] * ahead.of[i];
    }
    sum = over_block<Sum>(sum, scratch);
    if (threadIdx.x == 0) total[utterance] = sum;
    for (int i = 0; i < 4; i++) ahead.of[i] /= sum;

    // Backward: shared holds at [phone, left] what it is worth to arrive in each pair.
    if (works) coming = outputs_at(logits + (size_t)(frame_count - 1) * OUTPUTS, quad);
    for (int time = frame_count - 1; time >= 0; time--) {
        const QuadOutputs outputs = coming;
        if (works && time > 0) coming = outputs_at(logits + (size_t)(time - 1) * OUTPUTS, quad);
        if (works) {
            float2* halves = reinterpret_cast<float2*>(gradient + (size_t)time * OUTPUTS);
            for (int i = 0; i < 4; i++) {
                const float2 half = halves[4 * quad + i];
                halves[4 * quad + i] = {-half.x * ahead.of[i], -half.y * ahead.of[i]};
                shared[(phone + i) * ROW + left] =
                    likelihood(forward_output(outputs, i), best[time]) * ahead.of[i];
            }
        }
        __syncthreads();
        if (works && time > 0) {
            Quad onward = {};
#pragma unroll 8
            for (int next = 0; next < PHONES; next++) {
                const Quad follows = quad_at(follow_by_next + (size_t)next * PAIRS, quad);
                const Quad worth = quad_at(shared + next * ROW, phone / 4);
                for (int i = 0; i < 4; i++) onward.of[i] += follows.of[i] * worth.of[i];
            }
            const float inverse = 1.0f / scale[time];
            for (int i = 0; i < 4; i++) {
                const float stays = likelihood(stay_output(outputs, i), best[time]) * ahead.of[i];
                ahead.of[i] = (onward.of[i] + stays) * inverse;
            }
        }
        __syncthreads();
    }

    const size_t end = (size_t)length * OUTPUTS;
    for (size_t i = (size_t)frame_count * OUTPUTS + threadIdx.x; i < end; i += blockDim.x)
        gradient[i] = 0.0f;
}

// ---- A transcript: a graph of few states, one thread a state, scores as logarithms -------------

__device__ float log_add(float a, float b) {
    const float greater = fmaxf(a, b);
    return greater < NEVER / 2 ? NEVER : greater + __logf(1.0f + __expf(fminf(a, b) - greater));
}

// Log of the sum over the arcs of a state, which lie `stride` apart and end with -1.
__device__ float over_arcs(
    const float* scores, const int* arcs, const float* weights, int most, int stride
) {
    float greatest = NEVER;
    int count = 0;
    for (; count < most && arcs[count * stride] >= 0; count++)
        greatest = fmaxf(greatest, scores[arcs[count * stride]] + weights[count * stride]);
    if (greatest < NEVER / 2) return NEVER;
    float sum = 0.0f;
    for (int i = 0; i < count; i++)
        sum += __expf(scores[arcs[i * stride]] + weights[i * stride] - greatest);
    return greatest + __logf(sum);
}

// The forward and the self-loop output of a state at a time, from its first at time nought.
__device__ float2 outputs_of_state(const float* outputs, int time) {
    return *reinterpret_cast<const float2*>(outputs + (size_t)time * OUTPUTS);
}

__device__ void add_posterior(float* place, float logarithm) {
    if (logarithm > NEGLIGIBLE) atomicAdd(place, __expf(logarithm));
}

extern "C" __global__ void __launch_bounds__(1024, 1) transcript(
    const float* __restrict__ logits,          // (B, T, OUTPUTS)
    const float* __restrict__ best,            // (B, T) the greatest logit of each frame
    const int* __restrict__ frames,            // (B)
    const int* __restrict__ labels,            // (B, L) the pair of each state
    const int* __restrict__ states,            // (B) how many of L there are
    const int* __restrict__ before,            // (B, most_before, L)
    const float* __restrict__ before_weights,  // (B, most_before, L)
    const int* __restrict__ after,             // (B, most_after, L)
    const float* __restrict__ after_weights,   // (B, most_after, L)
    const float* __restrict__ start,           // (B, L)
    const float* __restrict__ final,           // (B, L)
    float2* __restrict__ halves,               // (B, T, L) room to work in
    float* __restrict__ gradient,              // (B, T, OUTPUTS) the posteriors are added
    float* __restrict__ total,                 // (B) log of the sum, NEVER where nothing fits
    int length, int most_states, int most_before, int most_after
) {
    // Two arrays by turns: while one is read the other is filled, with one wait a frame.
    __shared__ float shared[2][1024];
    __shared__ float scratch[2][WARP];
    const int utterance = blockIdx.x, state = threadIdx.x;
    const int frame_count = frames[utterance];
    const bool works = state < states[utterance];
    const size_t here = (size_t)utterance * most_states + state;
    const int output = works ? 2 * labels[here] : 0;
    logits += (size_t)utterance * length * OUTPUTS + output;
    gradient += (size_t)utterance * length * OUTPUTS + output;
    best += (size_t)utterance * length;
    halves += (size_t)utterance * length * most_states + state;
    before += (size_t)utterance * most_before * most_states + state;
    before_weights += (size_t)utterance * most_before * most_states + state;
    after += (size_t)utterance * most_after * most_states + state;
    after_weights += (size_t)utterance * most_after * most_states + state;

    float heard = NEVER;
    float2 coming = works ? outputs_of_state(logits, 0) : float2{};
    for (int time = 0; time < frame_count; time++) {
        const float2 outputs = coming;
        if (works) {
            if (time + 1 < frame_count) coming = outputs_of_state(logits, time + 1);
            const float* earlier = shared[time % 2];
            const float entering = time == 0
                ? start[here]
                : over_arcs(earlier, before, before_weights, most_before, most_states);
            const float arrive = fmaxf(entering + outputs.x - best[time], NEVER);
            const float stay = fmaxf(heard + outputs.y - best[time], NEVER);
            halves[(size_t)time * most_states] = {arrive, stay};
            heard = log_add(arrive, stay);
            shared[(time + 1) % 2][state] = heard;
        }
        __syncthreads();
    }

    float ahead = works ? final[here] : NEVER;
    const float whole = fmaxf(heard + ahead, NEVER);
    const float greatest = over_block<Max>(whole, scratch[0]);
    const float sum = over_block<Sum>(__expf(whole - greatest), scratch[1]);
    const bool fits = greatest > NEVER / 2;
    const float log_sum = fits ? greatest + __logf(sum) : NEVER;
    if (threadIdx.x == 0) total[utterance] = log_sum;
    if (!fits) return;

    if (works) coming = outputs_of_state(logits, frame_count - 1);
    for (int time = frame_count - 1; time >= 0; time--) {
        const float2 outputs = coming;
        float stay_onward = NEVER;
        if (works) {
            if (time > 0) coming = outputs_of_state(logits, time - 1);
            const float2 half = halves[(size_t)time * most_states];
            float* posteriors = gradient + (size_t)time * OUTPUTS;
            add_posterior(posteriors, half.x + ahead - log_sum);
            add_posterior(posteriors + 1, half.y + ahead - log_sum);
            shared[time % 2][state] = fmaxf(outputs.x - best[time] + ahead, NEVER);
            stay_onward = fmaxf(outputs.y - best[time] + ahead, NEVER);
        }
        __syncthreads();
        if (works)
            ahead = log_add(
                stay_onward,
                over_arcs(shared[time % 2], after, after_weights, most_after, most_states));
    }
}
