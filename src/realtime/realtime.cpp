// Compiles the headers of this folder on their own, for the two kinds of value that cross threads in practice.
#include "realtime/latest.hpp"
#include "realtime/ring.hpp"

namespace hushmill::realtime {

template class Ring<float>;
template class Latest<float>;

}  // namespace hushmill::realtime
