// Runs the kernels of the objective without a graphics processor: a thread of the system for each
// thread of a block, one block after another. KERNELS and PHONES are given to the compiler.

#include <atomic>
#include <barrier>
#include <cmath>
#include <cstddef>
#include <memory>
#include <thread>
#include <vector>

#define __global__
#define __device__
#define __shared__ static
#define __align__(bytes) __attribute__((aligned(bytes)))
#define __launch_bounds__(threads, blocks)

struct float2 { float x, y; };
struct float4 { float x, y, z, w; };
struct Index { int x; };

static thread_local Index threadIdx;
static Index blockIdx, blockDim;
static std::unique_ptr<std::barrier<>> block_waits;
static std::vector<std::unique_ptr<std::barrier<>>> warp_waits;
static float lanes[1024];

static void __syncthreads() { block_waits->arrive_and_wait(); }

static float __shfl_xor_sync(unsigned, float value, int step) {
    std::barrier<>& wait = *warp_waits[threadIdx.x / 32];
    lanes[threadIdx.x] = value;
    wait.arrive_and_wait();
    const float other = lanes[threadIdx.x ^ step];
    wait.arrive_and_wait();
    return other;
}

#define __expf std::exp
#define __logf std::log
using std::fmaxf;
using std::fminf;
static void atomicAdd(float* place, float value) { std::atomic_ref<float>(*place) += value; }

#include KERNELS

template <typename Kernel>
static void on_threads(int blocks, int threads, Kernel kernel) {
    blockDim.x = threads;
    for (blockIdx.x = 0; blockIdx.x < blocks; blockIdx.x++) {
        block_waits = std::make_unique<std::barrier<>>(threads);
        warp_waits.clear();
        for (int warp = 0; warp < threads / 32; warp++)
            warp_waits.push_back(std::make_unique<std::barrier<>>(32));
        std::vector<std::thread> running;
        for (int thread = 0; thread < threads; thread++)
            running.emplace_back([=] {
                threadIdx.x = thread;
                kernel();
            });
        for (std::thread& thread : running) thread.join();
    }
}

extern "C" void run_any_phones(
    int blocks, int threads, const float* logits, const float* best, const int* frames,
    const float* follow, const float* follow_by_next, const float* start, const float* final,
    float* scale, float* total, float* gradient, int length
) {
    on_threads(blocks, threads, [=] {
        any_phones(logits, best, frames, follow, follow_by_next, start, final, scale, total,
                   gradient, length);
    });
}

extern "C" void run_transcript(
    int blocks, int threads, const float* logits, const float* best, const int* frames,
    const int* labels, const int* states, const int* before, const float* before_weights,
    const int* after, const float* after_weights, const float* start, const float* final,
    float2* halves, float* gradient, float* total,
    int length, int most_states, int most_before, int most_after
) {
    on_threads(blocks, threads, [=] {
        transcript(logits, best, frames, labels, states, before, before_weights, after,
                   after_weights, start, final, halves, gradient, total, length, most_states,
                   most_before, most_after);
    });
}
